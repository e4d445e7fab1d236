"""A published table of drag and lift over speed and spin, as numbers."""

import numpy as np

SPEEDS_MPS = np.array([13.7, 21.6, 29.9, 38.4, 46.9, 55.2, 63.1, 71.9, 80.2, 88.1])
SPINS_KRPM = np.array([2.0, 3.0, 4.0, 5.0, 6.0])
DRAG = np.array(
    [
        [0.362, 0.288, 0.276, 0.253, 0.247, 0.248, 0.247, 0.247, 0.247, 0.247],
        [0.420, 0.366, 0.317, 0.282, 0.266, 0.258, 0.256, 0.255, 0.254, 0.254],
        [0.429, 0.400, 0.349, 0.308, 0.285, 0.271, 0.266, 0.263, 0.261, 0.261],
        [0.485, 0.431, 0.373, 0.332, 0.306, 0.288, 0.277, 0.271, 0.267, 0.267],
        [0.518, 0.441, 0.388, 0.352, 0.329, 0.308, 0.288, 0.279, 0.274, 0.274],
    ]
)
"""Rows: `SPINS_KRPM`; columns: `SPEEDS_MPS`. P. W. Bearman and J. K. Harvey, "Golf ball
aerodynamics," Aeronautical Quarterly, vol. 27, pp. 112-122, 1976, figures 7 and 8, ball with
hexagonal dimples, as tabulated in a university course on numerical methods (every fifth row of its
spins; read second-hand). [-]"""
LIFT = np.array(
    [
        [0.104, 0.185, 0.246, 0.198, 0.176, 0.154, 0.142, 0.136, 0.128, 0.128],
        [0.362, 0.336, 0.305, 0.248, 0.207, 0.186, 0.170, 0.158, 0.149, 0.146],
        [0.401, 0.364, 0.335, 0.286, 0.238, 0.215, 0.198, 0.181, 0.169, 0.158],
        [0.413, 0.389, 0.350, 0.312, 0.270, 0.242, 0.225, 0.203, 0.190, 0.179],
        [0.464, 0.423, 0.372, 0.339, 0.301, 0.266, 0.251, 0.225, 0.210, 0.200],
    ]
)
"""As `DRAG`. [-]"""
