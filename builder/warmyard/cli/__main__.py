"""`python -m warmyard.cli` is the `warmyard` command."""

import sys

from warmyard.cli.main import main

sys.exit(main())
