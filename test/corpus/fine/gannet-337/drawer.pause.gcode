M117 Lay in the magnets
M83
G90
G1 E-1.2 F2400
G1 Z{{ min(layer.top + 40, reach.top) }} F1000
G1 X10 Y310 F12000
M104 S150                    ; not hot enough to drip
M0
M109 S{{ heat.nozzle.later }}
G1 E2.4 F600                 ; what has run out meanwhile; the drop falls in the front left corner
G1 E-1.2 F2400
; the job comes back from here by a travel of its own, and pushes 1.2 first, as after each of its travels
