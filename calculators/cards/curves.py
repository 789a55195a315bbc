"""Where the points of a curve lie."""


def decades(low: float, high: float, count: int) -> list[float]:
    """Values at equal ratios, from low to high and both exact."""
    inner = [low * (high / low) ** (i / (count - 1)) for i in range(1, count - 1)]
    return [low, *inner, high]


def steps(low: float, high: float, count: int) -> list[float]:
    """Values at equal distances, from low to high and both exact."""
    inner = [low + (high - low) * i / (count - 1) for i in range(1, count - 1)]
    return [low, *inner, high]
