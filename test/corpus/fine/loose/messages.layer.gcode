M117 Layer {{ layer.number }}
M118 layer {{ layer.number }} of {{ layer.count }} at {{ layer.top }}
