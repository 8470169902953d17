"""``python -m seamwright``."""

from seamwright.cli import main

if __name__ == "__main__":
    main()
