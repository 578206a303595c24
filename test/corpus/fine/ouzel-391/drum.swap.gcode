; from one drum of filament to the next
G10
G90
{{# layer.top + 50 <= reach.top }}
G1 Z{{ layer.top + 50 }} F1500
G1 X-12 Y-20 F18000
M0 next drum
M83
G1 E60 F240           ; over the floor tray, 21 mm in front of the bed
{{/}}
G11
