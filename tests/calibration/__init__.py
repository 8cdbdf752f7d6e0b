"""How often the policy's rules are wrong: `python -m tests.calibration` writes the table."""
