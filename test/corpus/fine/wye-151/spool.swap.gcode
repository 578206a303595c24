; Straight up with the old filament, then M600 does the rest by the display
M83
G1 E-4 F2100
G90
G1 Z{{ min(layer.top + 30, reach.top) }} F4800
M600
; the display's routine leaves it where it was; back down the way it came
G1 Z{{ layer.top }} F1200
G1 E4 F2100
