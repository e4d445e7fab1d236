"""``python -m leadfoot.cli``: the command line without its script."""

from leadfoot.cli.main import main

if __name__ == "__main__":
    main()
