"""A program that backs a book up again and again until it is killed; run by test_backups.py."""

import os
import sys
from pathlib import Path

from leadfoot.book.store import open_book


def main() -> None:
    with open_book(Path(sys.argv[1])) as book:
        while True:
            os.write(1, b"begin\n")
            made = book.file.back_up()
            os.write(1, f"made {made.name}\n".encode())


if __name__ == "__main__":
    main()
