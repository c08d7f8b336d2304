"""Everything that a person can ask, one function each: Request -> Outcome. Every face calls only this."""
