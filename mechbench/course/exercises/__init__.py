"""The exercises, one file a lesson; each file ends in EXERCISES, in the order in which they are asked."""
