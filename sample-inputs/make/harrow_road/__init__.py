"""Makes the invented contract HR-31-07, Harrow Road: run `python make_all.py` one folder up."""
