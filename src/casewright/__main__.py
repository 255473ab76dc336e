"""`python -m casewright`."""

from casewright.cli import main

main()
