; One picture a layer. The bed comes to the front, the camera is released, and the job goes on from there.
{{# layer.number > 1 && layer.top + 1 <= reach.top }}
M83
G90
G1 E-1.1 F2100
G1 Z{{ layer.top + 1 }} F540
G1 X-2 Y186 F9000
M400
M240
G4 P350
G1 E1.1 F2100       ; over the front, clear of the part
; the first line of the next layer is a travel with X, Y and Z, as this program writes it
{{/}}
