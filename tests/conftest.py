"""What holds for every test."""

from hypothesis import settings

# how long one example takes hangs on what else the machine does
settings.register_profile("without a clock", settings.default, deadline=None)
settings.load_profile("without a clock")
