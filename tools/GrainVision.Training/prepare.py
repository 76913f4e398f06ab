#!/usr/bin/env python3
"""Drawn photos with truth and masks -> training items.

Reads seed-*.json / .jpg / -mask.png that the synthesiser wrote with --masks and writes OUT/part-NN.pkl, lists of dicts:
  strip   uint8 RGB, 42 rows by n columns: along the ring path of an end, 14 columns a mm, rows 1/7 mm apart; 4 mm beyond both ends
  bound   ring boundaries on the strip, in columns
  bad     a byte a column: 0 readable, 1 a thin mark crosses it (crack, marking), 2 no ring to be read (knot, hole, no wood ...),
          3 rings finer than the photo resolves: not asked for
  surf    uint8 RGB, the rectified surface at 6 px/mm with 4 mm of bench round it, the long axis of a face along x
  bits    uint32, bit k is class k of common.CLASSES, bit 16 + k says that class k is not asked for at this pixel
usage: prepare.py PHOTOS OUT [processes] [part, of parts]
"""
import glob, os, pickle, sys
from multiprocessing import Pool
import numpy as np
import torch
from common import *

FINEST_PX = 2.0           # a ring narrower than two pixels of the photo cannot be told from its neighbour (Nyquist)
LONGEST = 380.0           # mm of a face kept, about its middle: keeps the rasters small


def strip_of(t, im, bits, cam):
    path = cam.mm(t["rings"]["path"])
    ends = [path[0] + (path[0] - path[min(4, len(path) - 1)]) * 10, path[-1] + (path[-1] - path[max(-5, -len(path))]) * 10]
    for k, (e, p) in enumerate(((0, path[0]), (-1, path[-1]))):
        d = ends[k] - p
        ends[k] = p + d / (np.linalg.norm(d) + 1e-9) * MARGIN
    path = np.concatenate([ends[:1], path, ends[1:]])
    d = np.r_[0, np.cumsum(np.hypot(*np.diff(path, axis=0).T))]
    s = np.arange(0, d[-1], 1 / STRIP_PER_MM)
    x = np.stack([np.interp(s, d, path[:, 0]), np.interp(s, d, path[:, 1])], 1)
    tan = np.gradient(x, axis=0)
    tan = np.stack([np.convolve(np.pad(tan[:, i], 12, "edge"), np.ones(25) / 25, "valid") for i in (0, 1)], 1)
    tan /= np.linalg.norm(tan, axis=1, keepdims=True) + 1e-9
    nor = np.stack([-tan[:, 1], tan[:, 0]], 1)
    off = (np.arange(ROWS) - (ROWS - 1) / 2) / 7
    g = cam.px(x[None] + off[:, None, None] * nor[None])
    m = nearest(bits, g[..., 0], g[..., 1])
    wide = lambda v: (dilate(v, 3).mean(0) > .5)
    thin = wide((m & bit(CRACK, MARKING)) > 0)
    lost = ((m & bit(KNOT, POCKET, HOLE, PITH, STAIN)) > 0)
    lost = ((m & bit(WOOD)) == 0) | (lost & ((m & bit(KNOT, POCKET, HOLE, PITH)) > 0))
    bad = np.where(lost.mean(0) > .4, 2, np.where(thin, 1, 0)).astype(np.uint8)
    b = cam.mm(t["rings"]["boundaries"])
    bound = np.sort(np.array([s[np.argmin(((x - q) ** 2).sum(1))] * STRIP_PER_MM for q in b]))
    gap = np.diff(bound) / STRIP_PER_MM * t["scale"]["pixelsPerMm"]
    for k in np.nonzero(gap < FINEST_PX)[0]:
        bad[max(0, int(bound[k]) - 2):int(bound[k + 1]) + 3] = 3
    return sample(im, g[..., 0], g[..., 1]).round().clip(0, 255).astype(np.uint8), bound, bad


def surface_of(t, im, bits, cam):
    o = cam.mm(t["outline"])
    lo, hi = o.min(0) - MARGIN, o.max(0) + MARGIN
    if t["view"] == "face":
        mid = (lo[0] + hi[0]) / 2
        lo[0], hi[0] = max(lo[0], mid - LONGEST / 2), min(hi[0], mid + LONGEST / 2)
    w, h = int((hi[0] - lo[0]) * PER_MM), int((hi[1] - lo[1]) * PER_MM)
    if not (40 < w < 2700 and 40 < h < 1800):
        return None
    gx, gy = np.meshgrid((lo[0] + (np.arange(w * 2) + .5) / 2 / PER_MM).astype(np.float32), (lo[1] + (np.arange(h * 2) + .5) / 2 / PER_MM).astype(np.float32))
    g = cam.px(np.stack([gx, gy], -1))
    rgb = sample(im, g[..., 0], g[..., 1]).reshape(h, 2, w, 2, 3).mean((1, 3))
    m = nearest(bits, g[..., 0], g[..., 1], UNASKED).reshape(h, 2, w, 2)
    m = m[:, 0, :, 0] | m[:, 1, :, 0] | m[:, 0, :, 1] | m[:, 1, :, 1]
    # Where a blemish lies, the harmless mark beneath it is not asked for: the two shall be told apart.
    blemish = (m & bit(KNOT, CRACK, POCKET, HOLE, DENT)) > 0
    m = np.where(blemish, m & ~bit(MARKING, MACHINING, DIRT), m)
    return rgb.round().clip(0, 255).astype(np.uint8), m.astype(np.uint32)


def one(path):
    t = load_json(path)
    im = read_rgb(path[:-5] + ".jpg")
    h, w = im.shape[:2]
    bits = np.array(t["mask"]["combinations"], np.int32)[read_mask(path[:-5] + "-mask.png")]
    cam = Camera(t["scale"], w, h)
    out = {"view": t["view"], "seed": t["seed"], "species": t["species"], "difficulty": t["conditions"]["difficulty"]}
    if t["view"] == "end" and t.get("rings") and len(t["rings"]["boundaries"]) > 2:
        out["strip"], out["bound"], out["bad"] = strip_of(t, im, bits, cam)
        out["pxPerRing"] = t["conditions"]["pxPerRing"]
    got = surface_of(t, im, bits, cam)
    if got is not None:
        out["surf"], out["bits"] = got
        out["pxPerMm"], out["blur"] = t["scale"]["pixelsPerMm"], t["conditions"]["blurSigmaPx"]
    return out


def part(job):
    k, files, folder = job
    torch.set_num_threads(1)
    items = []
    for f in files:
        try:
            items.append(one(f))
        except Exception as e:                               # a photo cut off while it was written
            print("left out", f, repr(e), flush=True)
    with open(os.path.join(folder, "part-%03d.pkl" % k), "wb") as f:
        pickle.dump(items, f, protocol=4)
    return len(items), sum("strip" in x for x in items), sum("surf" in x for x in items)


if __name__ == "__main__":
    torch.set_num_threads(1)
    photos, folder = sys.argv[1:3]
    n = int(sys.argv[3]) if len(sys.argv) > 3 else os.cpu_count()
    os.makedirs(folder, exist_ok=True)
    files = sorted(glob.glob(photos + "/*.json"))
    if len(sys.argv) > 4:                                    # one part by this process itself: called beside the drawing
        print("%d photos, %d strips, %d surfaces" % part((int(sys.argv[4]), files, folder)), flush=True)
    else:
        with Pool(n) as pool:
            got = pool.map(part, [(k, files[k::n], folder) for k in range(n)], chunksize=1)
        print("%d photos, %d strips, %d surfaces" % tuple(np.array(got).sum(0)))
