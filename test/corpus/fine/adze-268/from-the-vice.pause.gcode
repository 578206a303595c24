; Nuts are laid in by hand here, then it goes on.
M83
G90
M83
G1 E-0.8 F2400
G1 Z{{ min(layer.top + 20, reach.top) }} F900
G1 X-120 Y118 F9000
M84 E
M0
M17
; X and Y stayed held; the job says X, Y and Z again before it prints, and pushes nothing of its own
G1 E0.8 F2400
