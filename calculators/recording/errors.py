"""The refusal of a recording."""

from calculators.errors import InputError


class RecordingError(InputError):
    """A file from which nothing can be read.

    Args:
        file: Its name, as the reader knows it.
        message: What is wrong and what is accepted, as whole sentences.
    """

    def __init__(self, file: str, message: str) -> None:
        super().__init__("recording", f"{file}: {message}")
        self.file = file
        self.why = message

    def __reduce__(self) -> tuple[type["RecordingError"], tuple[str, str]]:
        """Travels between processes whole."""
        return RecordingError, (self.file, self.why)
