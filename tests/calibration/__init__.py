"""How often the program is right: invented athletes with a known truth, judged from their logs by the program as it is."""

import os

# Many small matrices: threads for each only get in each other's way. It must be said before numpy is first imported.
for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")
