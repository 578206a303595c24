M117 {{ layer.number }} OF {{ layer.count }}, Z {{ layer.top }}
