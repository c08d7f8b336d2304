"""Every question of ``seatplan.app`` over HTTP, in JSON: the same answers and the same errors as on the command line.

``table.py`` names the questions; what each of them takes is read off its request (``given.py``), so that both the
server and its description (``openapi.py``) follow when a request changes. Nothing of a person stands in a URL: names
are in what is posted.
"""
