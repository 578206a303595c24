M117 storey ‹storey› of ‹storeys›
‹should storey == 2›
M104 S‹nib_then›
M140 S‹slab_then›
M106 S180
‹so be it›
