"""How a camera sees points: pinhole, two terms of radial distortion, and the way back to a plane.

Camera axes: x right, y down, z away from the camera. World axes: the face is z = 0, z up toward the camera.
"""

import numpy as np
from msgspec import Struct

from flangelayout.vision.sample import Array

_UNDISTORT_STEPS = 8


class CameraView(Struct, frozen=True):
    """A camera where it stood for one photo.

    Attributes:
        turn: (3, 3) rotation from world to camera.
        shift: (3,) the world's origin in the camera, mm.
        focal: Focal length in pixels.
        middle: (2,) principal point in pixels.
        bend: (2,) radial distortion of second and fourth order.
    """

    turn: Array
    shift: Array
    focal: float
    middle: Array
    bend: Array

    def project(self, points: Array) -> Array:
        """(n, 2) pixels of (n, 3) world points in mm."""
        seen = points @ self.turn.T + self.shift
        flat = seen[:, :2] / seen[:, 2:]
        square = (flat * flat).sum(axis=1, keepdims=True)
        return np.asarray(self.middle + self.focal * flat * (1 + square * (self.bend[0] + square * self.bend[1])))

    def on_plane(self, pixels: Array, height: float = 0.0) -> Array:
        """(n, 2) world places, mm, where the rays of (n, 2) pixels pass the plane z = ``height``."""
        bent = (pixels - self.middle) / self.focal
        flat = bent
        for _ in range(_UNDISTORT_STEPS):
            square = (flat * flat).sum(axis=1, keepdims=True)
            flat = bent / (1 + square * (self.bend[0] + square * self.bend[1]))
        rays = np.column_stack([flat, np.ones(len(flat))]) @ self.turn
        eye = self.eye
        reach = (height - eye[2]) / rays[:, 2:]
        return np.asarray(eye[:2] + rays[:, :2] * reach)

    @property
    def eye(self) -> Array:
        """(3,) where the camera stood, mm."""
        return np.asarray(-self.turn.T @ self.shift)

    @property
    def axis(self) -> Array:
        """(3,) unit vector from the face back along the camera's axis."""
        return np.asarray(-self.turn[2])

    def pixels_per_mm(self, place: Array) -> float:
        """How many pixels a mm across the line of sight is at (3,) a world place."""
        return float(self.focal / (self.turn[2] @ place + self.shift[2]))


def turned(vectors: Array) -> Array:
    """(n, 3, 3) rotations about (n, 3) vectors by their lengths in radians (Rodrigues' formula)."""
    angle = np.maximum(np.sqrt((vectors**2).sum(axis=1)), 1e-12)[:, None, None]
    axis = cross_matrices(vectors) / angle
    return np.asarray(np.eye(3) + np.sin(angle) * axis + (1 - np.cos(angle)) * axis @ axis)


def cross_matrices(vectors: Array) -> Array:
    """(n, 3, 3) matrices that cross each of (n, 3) vectors with what they are applied to."""
    x, y, z = vectors.T
    zero = np.zeros_like(x)
    return np.stack([zero, -z, y, z, zero, -x, -y, x, zero], axis=1).reshape(-1, 3, 3)


def angle_between(one: Array, other: Array) -> float:
    """Degrees between two unit vectors."""
    return float(np.degrees(np.arccos(np.clip(one @ other, -1, 1))))


def homography(flat: Array, pixels: Array) -> Array:
    """(3, 3) map from (n, 2) places of a plane to (n, 2) pixels, four or more, by the direct linear transform.

    Places and pixels are brought to middle 0 and size 1 first (Hartley, In defense of the eight-point algorithm, 1997).
    """
    first, second = _leveled(flat), _leveled(pixels)
    a = np.column_stack([flat, np.ones(len(flat))]) @ first.T
    b = np.column_stack([pixels, np.ones(len(pixels))]) @ second.T
    zero = np.zeros_like(a)
    rows = np.vstack([np.hstack([a, zero, -b[:, :1] * a]), np.hstack([zero, a, -b[:, 1:2] * a])])
    leveled = np.linalg.svd(rows)[2][-1].reshape(3, 3)
    found = np.linalg.inv(second) @ leveled @ first
    return np.asarray(found / found[2, 2])


def _leveled(points: Array) -> Array:
    middle = points.mean(axis=0)
    size = max(float(np.sqrt(((points - middle) ** 2).sum(axis=1).mean())), 1e-9)
    return np.array([[1 / size, 0, -middle[0] / size], [0, 1 / size, -middle[1] / size], [0, 0, 1.0]])


def mapped(matrix: Array, points: Array) -> Array:
    """(n, 2) points through a homography."""
    seen = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(seen[:, :2] / seen[:, 2:])


def pose_of_plane(matrix: Array, focal: float, middle: Array) -> tuple[Array, Array]:
    """Rotation and shift of a plane in front of a camera without distortion, from the plane's homography."""
    lens = np.array([[focal, 0, middle[0]], [0, focal, middle[1]], [0, 0, 1.0]])
    flat = np.linalg.inv(lens) @ matrix
    size = np.sqrt(np.linalg.norm(flat[:, 0]) * np.linalg.norm(flat[:, 1]))
    flat = flat / size * (1 if flat[2, 2] > 0 else -1)
    rough = np.column_stack([flat[:, 0], flat[:, 1], np.cross(flat[:, 0], flat[:, 1])])
    left, _, right = np.linalg.svd(rough)
    return np.asarray(left @ np.diag([1, 1, np.linalg.det(left @ right)]) @ right), np.asarray(flat[:, 2])
