"""How the example trials are made: `python -m tests.examples` writes example_trials/ again."""
