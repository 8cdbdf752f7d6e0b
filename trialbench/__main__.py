"""`python -m trialbench` is the command `trialbench`."""

import sys

from trialbench.cli import main

sys.exit(main())
