"""The whole job in a browser, on the engine and the files of the command line: an extra,
``pip install 'seatplan[web]'``.

``create.py`` makes the application, ``guard.py`` stands before all of it, ``serving.py`` runs it.
"""
