"""What preparing, training and evaluating share: the classes, the synthesiser's camera, pictures without a picture library."""
import glob, json, math, os, pickle, struct, zlib
import numpy as np
import torch
import torch.nn.functional as F

CLASSES = ["knot", "crack", "pocket", "hole", "dent", "stain", "pith", "marking", "machining", "dirt", "glare", "indentedRings",
           "brightSapwood", "redStreak", "wood"]
K = len(CLASSES)
KNOT, CRACK, POCKET, HOLE, DENT, STAIN, PITH, MARKING, MACHINING, DIRT, GLARE, INDENTED, SAPWOOD, STREAK, WOOD = range(K)
BLEMISHES = (KNOT, CRACK, POCKET, HOLE, DENT, STAIN, PITH)
UNASKED = ((1 << K) - 1) << 16    # upper half of a label pixel: classes that it says nothing about; here all of them
PER_MM, END_PER_MM = 6.0, 9.0   # surface raster of a face and of an end, px/mm: a shake of 0.3 mm on an end is three pixels wide
MARGIN = 4.0              # mm of bench round the wood
STRIP_PER_MM, ROWS = 14, 42


def bit(*classes):
    return sum(1 << c for c in classes)


# ---------------------------------------------------------------- the synthesiser's camera (its truth file's scale)
def distort(p, k1, w, h):
    c = np.array([(w - 1) / 2, (h - 1) / 2])
    return c + (p - c) * (1 + k1 * np.minimum(((p - c) ** 2).sum(-1, keepdims=True) / (c ** 2).sum(), 2.25))


def undistort(p, k1, w, h):
    q = np.array(p, float)
    for _ in range(6):
        q = q + p - distort(q, k1, w, h)
    return q


def project(m, p):
    x, y = p[..., 0], p[..., 1]
    w = 1 / (m[2, 0] * x + m[2, 1] * y + m[2, 2])
    return np.stack([(m[0, 0] * x + m[0, 1] * y + m[0, 2]) * w, (m[1, 0] * x + m[1, 1] * y + m[1, 2]) * w], -1)


class Camera:
    """mm of the surface <-> px of the photo."""
    def __init__(self, scale, w, h):
        self.m = np.array(scale["pxFromMm"]).reshape(3, 3)
        self.inverse, self.k1, self.w, self.h = np.linalg.inv(self.m), scale["lensK1"], w, h

    def mm(self, px):
        return project(self.inverse, undistort(np.asarray(px, float), self.k1, self.w, self.h))

    def px(self, mm):
        return distort(project(self.m, mm), self.k1, self.w, self.h)


    def torch_px(self, x, y):
        """The same for tensors."""
        m = self.m
        w = 1 / (m[2, 0] * x + m[2, 1] * y + m[2, 2])
        cx, cy = (self.w - 1) / 2, (self.h - 1) / 2
        u, v = (m[0, 0] * x + m[0, 1] * y + m[0, 2]) * w - cx, (m[1, 0] * x + m[1, 1] * y + m[1, 2]) * w - cy
        k = 1 + self.k1 * ((u * u + v * v) / (cx * cx + cy * cy)).clamp(max=2.25)
        return cx + u * k, cy + v * k


# ---------------------------------------------------------------- pictures
def read_rgb(path):
    """uint8 RGB; by whichever reader is there."""
    try:
        import cv2
        return np.ascontiguousarray(cv2.imread(path)[:, :, ::-1])
    except ImportError:
        pass
    try:
        from PIL import Image
        return np.asarray(Image.open(path).convert("RGB"))
    except ImportError:
        from torchvision.io import ImageReadMode, read_image
        return read_image(path, ImageReadMode.RGB).permute(1, 2, 0).contiguous().numpy()


def read_mask(path):
    """Palette indices of a mask that the synthesiser wrote: rows unfiltered, one IDAT chunk."""
    data, at, w, h, packed = open(path, "rb").read(), 8, 0, 0, b""
    while at < len(data):
        n, name = struct.unpack(">I4s", data[at:at + 8])
        if name == b"IHDR":
            w, h = struct.unpack(">II", data[at + 8:at + 16])
        if name == b"IDAT":
            packed += data[at + 8:at + 8 + n]
        at += 12 + n
    rows = np.frombuffer(zlib.decompress(packed), np.uint8).reshape(h, w + 1)
    assert not rows[:, 0].any()
    return rows[:, 1:]


def write_rgb(path, im):
    try:
        import cv2
        cv2.imwrite(path, np.ascontiguousarray(im[:, :, ::-1]))
    except ImportError:
        from PIL import Image
        Image.fromarray(im).save(path)


def sample(im, x, y):
    """Bilinear values of an h x w x c uint8 picture at places x, y (px); the border goes on beyond it. Gives float32."""
    h, w = im.shape[:2]
    g = torch.from_numpy(np.stack([2 * x / (w - 1) - 1, 2 * y / (h - 1) - 1], -1).astype(np.float32))[None]
    t = torch.from_numpy(np.ascontiguousarray(im.transpose(2, 0, 1)).astype(np.float32))[None]
    return F.grid_sample(t, g, mode="bilinear", padding_mode="border", align_corners=True)[0].permute(1, 2, 0).numpy()


def nearest(im, x, y, beyond=0):
    """Values of an h x w picture at the nearest pixels; `beyond` outside of it."""
    h, w = im.shape
    i, j = np.rint(y).astype(int), np.rint(x).astype(int)
    inside = (i >= 0) & (j >= 0) & (i < h) & (j < w)
    return np.where(inside, im[np.clip(i, 0, h - 1), np.clip(j, 0, w - 1)], beyond)


def resize(im, factor):
    """uint8 picture by area when it shrinks."""
    t = torch.from_numpy(np.ascontiguousarray(im.transpose(2, 0, 1)).astype(np.float32))[None]
    size = (max(1, round(im.shape[0] * factor)), max(1, round(im.shape[1] * factor)))
    t = F.interpolate(t, size=size, mode="bilinear", antialias=True, align_corners=False)
    return t[0].permute(1, 2, 0).clamp(0, 255).round().byte().numpy()


def polygon(h, w, points):
    """Mask of a polygon's inside (even-odd), pixel centres at whole numbers."""
    p = np.asarray(points, float)
    out = np.zeros((h, w), bool)
    y0, y1 = max(0, int(np.ceil(p[:, 1].min()))), min(h - 1, int(np.floor(p[:, 1].max())))
    a, b = p, np.roll(p, -1, 0)
    for y in range(y0, y1 + 1):
        cross = (a[:, 1] <= y) != (b[:, 1] <= y)
        xs = np.sort(a[cross, 0] + (y - a[cross, 1]) / (b[cross, 1] - a[cross, 1]) * (b[cross, 0] - a[cross, 0]))
        for l, r in zip(xs[::2], xs[1::2]):
            out[y, max(0, int(np.ceil(l))):max(0, int(np.floor(r)) + 1)] = True
    return out


def dilate(mask, radius):
    t = torch.from_numpy(np.ascontiguousarray(mask)).float()[None, None]
    return F.max_pool2d(t, 2 * radius + 1, 1, radius)[0, 0].numpy() > 0


def erode(mask, radius, outside=False):
    t = 1 - torch.from_numpy(np.ascontiguousarray(mask)).float()[None, None]
    t = F.pad(t, (radius,) * 4, value=0. if outside else 1.)
    return F.max_pool2d(t, 2 * radius + 1, 1)[0, 0].numpy() == 0


def components(mask):
    """8-connected parts of a mask: label picture (0 none) and their number. By rows of runs joined in a forest."""
    h, w = mask.shape
    d = np.diff(np.pad(mask.astype(np.int8), ((0, 0), (1, 1))), axis=1)
    ys, starts = np.nonzero(d == 1)
    _, ends = np.nonzero(d == -1)
    parent = list(range(len(ys)))

    def find(i):
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i
    first = np.searchsorted(ys, np.arange(h + 1))
    for y in range(1, h):
        i, j = first[y - 1], first[y]
        while i < first[y] and j < first[y + 1]:
            if starts[i] <= ends[j] and starts[j] <= ends[i]:
                a, b = find(i), find(j)
                if a != b:
                    parent[max(a, b)] = min(a, b)
            if ends[i] < ends[j]:
                i += 1
            else:
                j += 1
    roots, out = {}, np.zeros((h, w), np.int32)
    for k in range(len(ys)):
        out[ys[k], starts[k]:ends[k]] = roots.setdefault(find(k), len(roots) + 1)
    return out, len(roots)


def held_back(x):
    """Drawn photos that training never sees: one of twelve, faces (even seeds) and ends alike."""
    return x["seed"] // 2 % 12 == 11


def read_items(folder, kind):
    return [x for f in sorted(glob.glob(os.path.join(folder, kind + "-*.pkl"))) for x in pickle.load(open(f, "rb"))]


def load_json(path):
    with open(path, encoding="utf-8") as f:
        return json.load(f)
