"""The examiner's desk: papers, answers, statistics of items, and cut scores."""
