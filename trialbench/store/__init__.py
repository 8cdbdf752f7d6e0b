"""The notebook file: schema on one screen, opening, migrations, history, keys, copies, rescue."""
