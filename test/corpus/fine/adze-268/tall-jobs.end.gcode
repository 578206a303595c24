; What is over the part stays over it where there is no room to lift
M104 S0
M140 S0
M83
G1 E-2 F2400
G28 X Y R12         ; this controller lifts by R before it homes X and Y
M107
M84
