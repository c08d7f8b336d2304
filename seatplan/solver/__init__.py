"""From a trip to a plan: placements, search, exact counts, ranking, certificates. Knows no rule and no shape."""
