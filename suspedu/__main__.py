"""`python -m suspedu` is the command `suspedu`."""

import sys

from suspedu.cli import main

if __name__ == "__main__":
    sys.exit(main())
