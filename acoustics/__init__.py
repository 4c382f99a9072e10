"""Acoustics of stopped fipple chambers: pure functions on numbers, no device, file, clock or window.

Conventions
-----------
Letters
    Chambers are lettered from the lowest note, "A" first, clockwise at the plug end seen from outside with the
    pencil mark up.
Lengths
    Millimetres at every interface. `length_mm` of the air is measured from the fipple's inner face to the face that
    stops the bore; `depth_mm` is how far that face lies inside the plug end of the body, positive inwards, so
    ``length_mm = bore_length_mm - depth_mm``. A deeper face means a shorter, *sharper* chamber.
Pitch
    `deviation_cents` is measured minus target; positive is sharp. Trimming a plug lowers pitch.
Uncertainty
    Every `_sd_` and `uncertainty_` is one standard deviation.
No value
    ``None``, or a result that carries its reason. Never 0, never a plausible number.
Angles in degrees, air in degrees Celsius and pascal, sound in hertz, cents, decibels and seconds.
"""
