"""How many repetitions a load allows: published relations that the program does not use.

share of the maximum lifted for r repetitions = (a + b e^(-c r))/100
  Wathen 1994 (in Baechle, Essentials of Strength Training and Conditioning): a 48.8, b 53.8, c 0.075
  Mayhew et al. 1992 (J Appl Sport Sci Res 6:200-206): a 52.2, b 41.9, c 0.055
Coefficients read second-hand. Each athlete's c deviates: people differ by 2.51 repetitions (SD) at 80 % of the maximum
(Nuzzo et al. 2024, doi:10.1007/s40279-023-01937-7, second-hand), a third of the mean.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

PEOPLE_DIFFER = 0.30  # SD of ln c between people


@dataclass(frozen=True)
class Curve:
    a: float
    b: float
    c: float

    def share(self, reps: float) -> float:
        """Of the maximum, for so many repetitions to failure."""
        return (self.a + self.b * np.exp(-self.c * reps)) / 100

    def repetitions(self, share: float) -> float:
        """To failure at a share of the maximum, not whole; 0 where it cannot be lifted once. Infinite below a/100."""
        if share >= self.share(1):
            return 1.0 if share <= 1 else 0.0
        return np.inf if share * 100 <= self.a else -np.log((100 * share - self.a) / self.b) / self.c

    def of_one_person(self, rng: np.random.Generator) -> Curve:
        return replace(self, c=self.c * float(np.exp(rng.normal(0, PEOPLE_DIFFER))))


WATHEN = Curve(48.8, 53.8, 0.075)
MAYHEW = Curve(52.2, 41.9, 0.055)
