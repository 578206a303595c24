; Only the front half is used. The other half of the bed has a heater of its own,
; which stays off: its switch is on the wall.
M83
G90
G21
M104 S{{ heat.nozzle.first - 80 }}
M190 S{{ heat.bed.first }}
G28
M109 S{{ heat.nozzle.first }}
G0 X208 Y40 F11000
G0 Z0.6 F600
G1 Y170 E21.4 F1200
G0 Z1.4 F600
G0 Y178 F7000
