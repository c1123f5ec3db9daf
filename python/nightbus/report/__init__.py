"""The report: one HTML file that needs nothing else, and PDF made from it."""
