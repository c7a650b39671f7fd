"""`python -m construct`: the command line."""

from construct.cli import main

if __name__ == "__main__":
    main()
