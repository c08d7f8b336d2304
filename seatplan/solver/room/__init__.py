"""The inverse question: how large may a restraint be for one rider, with everybody else in the car."""
