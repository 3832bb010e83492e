"""Shop arithmetic for whoever has no build open: one page for each sort of sum. The only Django in `calcs`."""
