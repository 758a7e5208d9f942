"""A yardstick: the row work of the yearly loop in numpy, for one reserve and for many at once.

The same small reserve as in reserve_years.cpp: 4 tiers, 40 lots, 40 years; litres, litres as they entered and alcohol by
lot, what was drawn and what evaporated by lot. Only rows are moved: no dates, no vessels, no sulfur, no checks. With
many reserves at once numpy's own cost is shared out, as in a search over draws.
"""
import sys
import time

import numpy as np

TIERS, YEARS, KEPT, SHARE, ALCOHOL, VAPOUR = 4, 40, 0.97, 0.2, 0.18, 0.12


def run(reserves):
    shape = (TIERS, reserves, YEARS)
    litres, entered, alcohol = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    flows = np.zeros((4, reserves, YEARS))  # litres and alcohol drawn, litres and alcohol evaporated
    litres[:, :, 0] = entered[:, :, 0] = 1000.0
    alcohol[:, :, 0] = 1000.0 * ALCOHOL
    for year in range(1, YEARS):
        held = litres.sum(axis=2, keepdims=True)
        alcohol_part = held * (1.0 - KEPT) * VAPOUR / alcohol.sum(axis=2, keepdims=True)
        flows[2] += (1.0 - KEPT) * litres.sum(axis=0)
        flows[3] += (alcohol_part * alcohol).sum(axis=0)
        litres *= KEPT
        alcohol *= 1.0 - alcohol_part
        flows[0] += SHARE * litres[-1]
        flows[1] += SHARE * alcohol[-1]
        for amounts in (litres, entered, alcohol):
            amounts[-1] *= 1.0 - SHARE
        for k in range(TIERS - 1, 0, -1):
            held = litres.sum(axis=2)
            share = ((1000.0 - held[k:]).sum(axis=0) / held[k - 1])[:, None]
            for amounts in (litres, entered, alcohol):
                amounts[k] += share * amounts[k - 1]
                amounts[k - 1] *= 1.0 - share
        new = 1000.0 - litres[0].sum(axis=1)
        litres[0, :, year] += new
        entered[0, :, year] += new
        alcohol[0, :, year] += new * ALCOHOL
    return litres, alcohol, flows


def main():
    for reserves in (1, 10, 100, 1000):
        best = float("inf")
        for _ in range(3):
            start = time.process_time()
            litres, alcohol, flows = run(reserves)
            best = min(best, time.process_time() - start)
        assert np.allclose(litres.sum(axis=2), 1000.0), "every tier is refilled to its target"
        print(f"numpy, {reserves:5d} reserves at once: {reserves * YEARS / best / 1e6:8.3f} million reserve-years a second")


if __name__ == "__main__":
    sys.exit(main())
