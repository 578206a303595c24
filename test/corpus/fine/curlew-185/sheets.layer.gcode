; Thick filament drips late: every 20th layer a small wait, off the part, so that the tip is wiped by hand
{{# layer.number % 20 == 0 && layer.top + 2 <= reach.top }}
M83
G1 E-4.5 F1200
G90
G1 Z{{ layer.top + 2 }} F330
G1 X186 Y3 F5400
G4 P2500
G1 E4.5 F600
{{/}}
