"""Writing a page to print where the caller wants it, whole or not at all."""

from __future__ import annotations

from pathlib import Path

from warmyard.errors import InputError


def write_page(named: str, text: str, what: str) -> None:
    """Write a page and print its path; raise InputError, calling it `what`, when it cannot be written there."""
    from warmyard.certify.files import write_whole

    path = Path(named).expanduser()
    try:
        whole = path.resolve()
        if not whole.parent.is_dir():
            raise InputError(f"{what} cannot be written to {named}: there is no such folder")
        write_whole(whole, text.encode())
    except OSError as problem:
        raise InputError(f"{what} cannot be written to {named} ({problem.strerror})") from None
    except ValueError:
        raise InputError(f"{what} cannot be written to {named!r}: that is no name of a file") from None
    print(path)
