"""`python -m standfast` and the installed command: hands over to the command line."""

import sys

from standfast.command.line import main

if __name__ == "__main__":
    sys.exit(main())
