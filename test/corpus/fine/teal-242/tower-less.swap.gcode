; Swap without a tower: the one that rests is kept 45 degrees cooler, so that it does not drip on the part.
; All jobs here are cups and saucers, so one more millimetre is always free above them.
G91
M83
G1 E-2.4 F2400
G1 Z1 F720
G90
M104 T{{ tool.number }} S{{ heat.nozzle.later - 45 }}
T{{ tool.next }}
M109 T{{ tool.next }} S{{ heat.nozzle.later }}
G1 E2.4 F1500
G91
G1 Z-1 F720
G90
