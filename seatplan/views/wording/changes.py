"""Changes that a person could make: what to do, and what to write into the files to try it."""

from __future__ import annotations

from ..say import Words

#: kind -> what to do
DO = Words({
    "sit-further-forward": "whoever sits at {position} sits {mm} forward of rearmost (now at most {was})",
    "switch-airbag-off": "the front airbag at {position} is switched off by hand, and its lamp looked at on every trip",
    "drop-wish": "you no longer insist on {wish}",
    "get-restraint": "get another restraint for {user}, with the sizes and limits of {restraint} (invented)",
    "fit-tether-anchor": "a workshop fits tether anchor {thing} at {position}, as the vehicle handbook offers",
    "get-narrower": "in place of {restraint} a like restraint that is nowhere wider than {mm} (it is {was})",
    "ride-elsewhere": "{rider} {rides} in another vehicle",
})
#: kind -> what stands for it in the files
WRITE = Words({
    "sit-further-forward": "in the trip, `front: {{{position}: {{forward_at_most: {number}}}}}`",
    "switch-airbag-off": "in the trip, {position} among `airbags_off`",
    "drop-wish": "in the trip, take `must: yes` out of the wish for {wish}",
    "get-restraint": "in the trip, under `restraints`:",
    "fit-tether-anchor": "in the vehicle, `tether: {thing}` at position {position}",
    "get-narrower": "in the restraint, no `width` over {number}",
    "ride-elsewhere": "in the trip, take {rider} out of `riders`",
})
#: rule -> what was asked for
WISHED = Words({
    "wish-for-seat-not-met": "{rider} {asked}",
    "wish-to-be-apart-not-met": "{rider} sitting apart",
    "wish-to-be-together-not-met": "{asked} sitting together",
})
