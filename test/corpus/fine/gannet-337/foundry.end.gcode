; Heat off at once; the door stays shut until the chamber has cooled, or the walls split.
M104 S0
M140 S0
M141 S0
G90
M83
G1 E-1.2 F2400
{{# part.top + 10 < reach.top }}
G1 Z{{ part.top + 10 }} F1000
G1 X12 Y316 F15000
{{/}}
M107
M84 X Y E                    ; Z stays held: the bed would sink by its weight
