; The night shift takes over: it stops at the front, tip off, bed on.
M83
G1 E-2.6 F1800
G90
{{# layer.top + 15 <= reach.top }}
G1 Z{{ layer.top + 15 }} F600
G1 X0 Y-16 F12000
{{/}}
M104 S0
M0 Night shift: check the spool
M109 S{{ heat.nozzle.later }}
G1 E2.6 F900
