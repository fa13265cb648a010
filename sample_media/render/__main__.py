"""python -m sample_media.render"""

import sys

from .cli import main

sys.exit(main())
