"""Time: how children grow, which limit each meets when, and what that means for the whole row."""
