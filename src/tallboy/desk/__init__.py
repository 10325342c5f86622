"""The desk: where sums are worked, the trade's tables looked up and added to, and the published checks read."""
