"""An invented scenario: three training logs as people have them, and what was planted in them. See README.md."""
