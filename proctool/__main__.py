"""`python -m proctool`."""

from proctool.cli.main import main

if __name__ == "__main__":
    main()
