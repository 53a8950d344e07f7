"""`python -m windows.cli`: the same as `ebblight`."""

from windows.cli import main

if __name__ == "__main__":
    main(prog_name="ebblight")
