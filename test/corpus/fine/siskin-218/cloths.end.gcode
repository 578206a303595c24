M140 S0
M104 S0
M83
G1 E‹cloth == "silk" ? -0.5 : -1.7› F1800
G90
‹should reach.top - peak >= 9›
G1 Z‹peak + 9› F600
G28 X
G1 Y200 F6000
‹so be it›
M106 S0
M84
