"""The one exception that a page or the command line shows as a refusal."""


class InputError(ValueError):
    """A value the reader gave that cannot be used.

    Args:
        name: The input it belongs to, so that a form can mark its field.
        message: What is wrong and what is accepted, in the reader's words.
        part: Which text of that input: "value", "tolerance" or "target".
    """

    def __init__(self, name: str, message: str, part: str = "value") -> None:
        super().__init__(message)
        self.name = name
        self.message = message
        self.part = part
