"""What the made-up cars and restraints are drawn from.

Status of each: ``seen`` in a published text, ``from memory``, ``low`` (from memory, rough), or ``ours``: no
published range is known, so it is as in the vehicles and restraints that we invented. None is fitted to the
published shares.
"""

from __future__ import annotations

#: mean, SD, lowest, highest, degrees. Rear seat pan from horizontal and seatback from vertical, NHTSA rear-seat
#: survey (Aram, Rockwell 2012); from memory
PAN_ANGLE = (14, 4, 7, 23)
BACK_ANGLE = (20, 4, 9, 28)
#: mm. Second-row cushions of 56 vehicles, Huang, Reed 2006; from memory; the shortest of 50 was about 400
#: (Bilston, Sagar 2007, derived)
CUSHION_LENGTH = (455, 37.5, 380, 560)
#: outboard to centre position, centre to centre: stands for the flat width between two bolsters, of which no range
#: is known; low
FLAT_WIDTH = (330, 420)
#: H-point to H-point, front seat at mid-track to second row, mm; low
COUPLE_DISTANCE = (750, 950)
#: from the front H-point back to the rear face of its seat at the cushion, the same with its H-point in the second
#: row forward of the bight (from memory), and how far the back of the front seat leans, degrees; ours
FRONT_SEAT_DEEP, SECOND_H_POINT, FRONT_BACK_LEANS = 250, 130, 22
#: half of how far a front seat slides; ours. Couple distances are often given with the front seat rearmost, which
#: would put so much on top at mid-track
HALF_TRAVEL = 110
#: rear-facing from the seatback, mm: infant carriers, convertibles in infant recline, convertibles upright; low
REAR_FACING_LENGTH = ((600, 720), (700, 820), (600, 720))
#: widest external width, mm: narrow, typical and wide harness restraints; low. A base is so much narrower; ours
WIDTH = (420, 530)
BASE_SHARE = (0.80, 0.90)
#: how far forward of the bight a base begins and ends, mm; ours
BASE_BACK, BASE_FRONT = (20, 60), (440, 520)
#: setting at the bench, settings beside it in steps towards upright, half the window that the mark allows; ours
SETTING, SETTING_STEP, SETTINGS, WINDOW = (38, 45), 6.5, (1, 3), (3, 5)
#: every (comes off, juts mm) of the invented vehicles' head restraints in proportion; ours
HEAD_RESTRAINTS = ([(False, 15)] * 9 + [(False, 20)] * 2 + [(False, 10)] * 2 + [(False, 40)] * 3
                   + [(True, 15)] * 39 + [(True, 20)] * 26 + [(True, 30)] * 2 + [(True, 40)] * 2)
#: tether anchors along and up from the bight, mm, strap lengths, and seatback heights; ours
ANCHOR_ALONG, ANCHOR_UP, STRAP, BACK_HEIGHT = (-900, -60), (300, 600), (1200, 2200), (520, 640)
