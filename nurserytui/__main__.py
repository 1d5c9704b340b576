"""`python -m nurserytui` is the command line."""

from nurserytui.cli import main

raise SystemExit(main())
