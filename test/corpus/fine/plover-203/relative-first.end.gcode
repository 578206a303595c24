M83
G90
G1 E-1.4 F2400
M104 S0
M140 S0
{{# part.top < reach.top - 3 }}
G1 Z{{ part.top + 3 }} F540
G28 X               ; the switch is on the left, clear of the part
G1 Y178 F5400
{{/}}
M106 S0
M84 X Y E           ; Z holds the beam until it is switched off
