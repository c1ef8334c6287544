"""The command line: `python -m fits --help`."""

import sys

from fits.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
