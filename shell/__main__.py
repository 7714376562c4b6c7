"""Runs the command line as `python -m shell`."""

import sys

from shell.main import main

sys.exit(main())
