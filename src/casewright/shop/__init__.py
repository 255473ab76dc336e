"""The web: Django with the rooms as pages, logs as rows, everything else joined here."""
