"""How a camera sees points, against numbers worked by hand; and back."""

import numpy as np
import pytest

from flangelayout.vision.camera import CameraView, turned


def test_a_lens_that_swells_shows_points_farther_out() -> None:
    # Radial terms as in Brown, Decentering distortion of lenses (1966): r^2 = 0.25, 1 + 0.1 r^2 - 0.05 r^4 = 1.021875.
    view = CameraView(np.eye(3), np.array([0.0, 0.0, 10.0]), 1000.0, np.array([500.0, 400.0]), np.array([0.1, -0.05]))
    assert view.project(np.array([[3.0, 4.0, 0.0]]))[0] == pytest.approx([806.5625, 808.75])


def test_a_pixel_leads_back_to_the_place_it_shows() -> None:
    over = turned(np.array([[np.pi - 0.3, 0.2, 0.1]]))[0]
    view = CameraView(over, np.array([5.0, -8.0, 600.0]), 3000.0, np.array([2010.0, 1490.0]), np.array([0.05, -0.04]))
    places = np.random.default_rng(2).uniform(-150, 150, (20, 2))
    pixels = view.project(np.column_stack([places, np.full(20, -0.7)]))
    assert np.allclose(view.on_plane(pixels, -0.7), places, atol=1e-6)
