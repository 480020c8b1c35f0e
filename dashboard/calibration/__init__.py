"""The committed run of `python -m tests.calibration`: cases.csv, curves.csv, run.csv."""
