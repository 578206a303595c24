G91
G1 Z1 F780           ; the program has pulled back before; nothing is built up to the last 20 mm here
G90
G28 X
