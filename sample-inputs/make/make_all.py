"""Makes the sample contracts again: `python make_all.py`. Needs LibreOffice and the packages of requirements.txt.

The content is the same on every run: seeds and dates are fixed.
"""

from harrow_road.__main__ import main as harrow_road
from mill_street import main as mill_street
from quay_lane import main as quay_lane

if __name__ == "__main__":
    harrow_road()
    quay_lane()
    mill_street()
