"""python -m certificate BOAT.yaml CERTIFICATE.json"""

import sys
from pathlib import Path

from .checker import check
from .told import Refused

boat, certificate = (Path(name).read_text() for name in sys.argv[1:3])
try:
    print(f"{check(boat, certificate).checked} answers follow")
except Refused as why:
    sys.exit(f"refused: {why}")
