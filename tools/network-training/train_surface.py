#!/usr/bin/env python3
"""Trains the surface net on drawn surfaces (prepare.py), real sawn faces and clear sections; writes OUT/surface.onnx, surface.pt.

Input  `surface` 1 x 3 x h x w float: a rectified surface, a face at 6 and an end at 9 px/mm, RGB, (value - 128) / 64, h and w multiples of 16.
Output `classes` 1 x 15 x h/2 x w/2: chance of each class of common.CLASSES.
usage: train_surface.py PARTS OUT [--faces FOLDER] [--sections GLOB] [--seconds 300] [--batch 64] [--start surface.pt]
"""
import argparse, glob, math, os, pickle, random, time
from multiprocessing import Pool
from common import *
from faces import crack_patches, label, read_faces, read_sections, with_cracks, with_steps
from nets import Mean, SurfaceNet, export
import looks

S = 320                                                       # side of a training crop, px


class Sampler:
    """Every picture lies in one flat buffer on the GPU; crops are cut, turned, scaled and altered there."""
    def __init__(self, groups, dev):
        """groups: (crops of a batch, share of them on marks, list of (img, label pixels, middles of marks))"""
        self.dev = dev
        every = [x for _, _, g in groups for x in g]
        size = [x[0].shape[0] * x[0].shape[1] for x in every]
        off = np.r_[0, np.cumsum(size)]
        self.h, self.w = (torch.tensor([x[0].shape[k] for x in every], device=dev) for k in (0, 1))
        self.off = torch.tensor(off[:-1], device=dev)
        self.rgb = torch.empty(int(off[-1]), dtype=torch.int32, device=dev)
        self.bits = torch.empty(int(off[-1]), dtype=torch.int32, device=dev)
        for x, o, n in zip(every, off, size):
            c = torch.from_numpy(np.ascontiguousarray(x[0])).to(dev).reshape(-1, 3).int()
            self.rgb[o:o + n] = c[:, 0] | (c[:, 1] << 8) | (c[:, 2] << 16)
            self.bits[o:o + n] = torch.from_numpy(np.ascontiguousarray(x[1]).view(np.int32)).to(dev).reshape(-1)
        self.at = [x[2] for x in every]
        self.wrong, self.place = np.full(len(every), .3), [None] * len(every)
        self.groups, start = [], 0
        for n, share, g in groups:
            ids = np.arange(start, start + len(g))
            self.groups.append((n, share, ids, ids[[bool(x[2]) for x in g]] if g else ids))
            start += len(g)

    def pick(self):
        """Which pictures, and where: on a mark, where the net was wrong before, or anywhere."""
        ids, centre = [], []
        for n, share, every, marked in self.groups:
            if not len(every):
                continue
            hard = np.random.choice(every, n, p=self.wrong[every] / self.wrong[every].sum())
            for k in range(n):
                roll = random.random()
                if len(marked) and roll < share:
                    i = random.choice(marked)
                    x, y = random.choice(self.at[i])
                    spread = 90
                elif roll < share + (1 - share) * .5 and self.place[hard[k]] is not None:
                    i = hard[k]
                    (x, y), spread = self.place[i], 60
                else:
                    i, x, y, spread = random.choice(every), -1e9, 0, 0
                ids.append(int(i))
                centre.append((x + random.uniform(-spread, spread), y + random.uniform(-spread, spread)))
        return ids, centre

    def draw(self):
        d = self.dev
        self.ids, centre = self.pick()
        i, c = torch.tensor(self.ids, device=d), torch.tensor(centre, device=d, dtype=torch.float32)
        B = len(self.ids)
        u = lambda *s: torch.rand(*s, device=d)
        h, w, off = self.h[i][:, None, None], self.w[i][:, None, None], self.off[i][:, None, None]
        c = torch.where(c[:, :1] < -1e8, torch.stack([u(B) * self.w[i], u(B) * self.h[i]], 1), c)
        scale = torch.exp(math.log(.55) + u(B) * math.log(1.5 / .55))
        angle = torch.randn(B, device=d) * torch.where(u(B) < .2, .25, .05)
        fx, fy = 1 - 2 * (u(B) < .5).float(), 1 - 2 * (u(B) < .5).float()
        co, si = torch.cos(angle) / scale, torch.sin(angle) / scale
        self.way = torch.stack([c[:, 0], c[:, 1], co, si, fx, fy], 1)

        e = lambda v: v[:, None, None]

        def where(n, shift=0.):
            g = (torch.arange(n, device=d).float() + .5 + shift) * (S / n) - S / 2
            gx, gy = g[None, None, :] * fx[:, None, None], g[None, :, None] * fy[:, None, None]
            return e(c[:, 0]) + e(co) * gx - e(si) * gy - .5, e(c[:, 1]) + e(si) * gx + e(co) * gy - .5

        def mirror(v, n):
            v = v.abs()
            return torch.minimum(torch.minimum(v, (2 * (n - 1) - v).clamp(min=0)), (n - 1).float())

        def colour(shift):
            X, Y = where(S, shift)
            X, Y = mirror(X, w), mirror(Y, h)
            x0, y0 = X.floor(), Y.floor()
            ax, ay = X - x0, Y - y0
            x0, y0 = x0.long(), y0.long()
            at, right, down = off + y0 * w + x0, (x0 + 1 < w).long(), (y0 + 1 < h).long() * w
            out = 0
            for p, k in ((at, (1 - ax) * (1 - ay)), (at + right, ax * (1 - ay)), (at + down, (1 - ax) * ay), (at + right + down, ax * ay)):
                v = self.rgb[p]
                out = out + torch.stack([v & 255, (v >> 8) & 255, v >> 16], 1) * k[:, None]
            return out
        # Two taps a pixel, a quarter aside: enough smoothing for the shrinking that happens here.
        img = (colour(-.25) + colour(.25)) / 2
        X0, Y0 = where(2 * S)
        X, Y = mirror(X0, w), mirror(Y0, h)
        # An output cell holds a class where any of its 4 x 4 places does.
        m = self.bits[off + Y.round().long() * w + X.round().long()]
        outside = (X0 < -.5) | (Y0 < -.5) | (X0 > w - .5) | (Y0 > h - .5)
        m = torch.where(outside, m | UNASKED, m)
        cell = m[:, ::4, ::4].clone()
        for a in range(4):
            for b in range(4):
                if a + b:
                    cell |= m[:, a::4, b::4]
        k = torch.arange(K, device=d)[:, None, None]
        y = ((cell[:, None] >> k) & 1).float()
        asked = 1 - ((cell[:, None] >> (k + 16)) & 1).float()
        # The rim of a mark is asked for less: a pixel more or less is no mistake.
        rim = F.max_pool2d(y, 3, 1, 1) - y
        rim[:, WOOD:] = 0
        weight = asked * (1 - .8 * rim)
        img = looks.surround(img, (m[:, None, ::2, ::2] >> WOOD & 1).float())
        img = looks.jpeg(looks.light(looks.focus(img)))
        return (img - 128) / 64, y, weight

    @torch.no_grad()
    def learn(self, p, y, weight):
        """Remembers each picture's strongest wrong blemish and where it was."""
        bad = p[:, :PITH] * (weight[:, :PITH] > .5) * (1 - F.max_pool2d(y[:, :PITH], 9, 1, 4).amax(1, keepdim=True))
        bad = bad.amax(1)
        top, at = bad.flatten(1).max(1)
        n = bad.shape[-1]
        g = torch.stack([(at % n) + .5, torch.div(at, n, rounding_mode="floor") + .5], 1).float() * (S / n) - S / 2
        gx, gy = g[:, 0] * self.way[:, 4], g[:, 1] * self.way[:, 5]
        x = self.way[:, 0] + self.way[:, 2] * gx - self.way[:, 3] * gy
        yy = self.way[:, 1] + self.way[:, 3] * gx + self.way[:, 2] * gy
        for i, t, a, b in zip(self.ids, *(v.cpu().tolist() for v in (top, x, yy))):
            self.wrong[i] = .6 * self.wrong[i] + .4 * (.02 + t)
            self.place[i] = (a, b) if t > .15 else None


def middles(bits):
    """Places on the blemishes of a drawn surface: of each class a few, cracks oftener."""
    out = []
    for c in BLEMISHES + (MARKING, STREAK):
        ys, xs = np.nonzero((bits >> c) & 1)
        if len(ys):
            for k in np.random.randint(len(ys), size={CRACK: 4, STAIN: 1, MARKING: 1, STREAK: 1}.get(c, 2)):
                out.append((float(xs[k]), float(ys[k])))
    return out


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("parts"), ap.add_argument("out"), ap.add_argument("--faces"), ap.add_argument("--sections"), ap.add_argument("--start")
    ap.add_argument("--seconds", type=float, default=300), ap.add_argument("--batch", type=int, default=64)
    ap.add_argument("--real", type=float, default=.4, help="share of real pictures in a batch")
    ap.add_argument("--ends", type=float, default=.5, help="share of ends among the drawn crops")
    ap.add_argument("--rate", type=float, default=4e-3), ap.add_argument("--decay", type=float, default=.999)
    ap.add_argument("--rounds", type=int, default=6, help="how often each real face is given cracks; a third as often saw steps")
    ap.add_argument("--fixed", action="store_true", help="keep the batch norms' running figures: small batches, few steps after --start")
    ap.add_argument("--wait", action="store_true", help="PARTS is still being made: wait for its file `done`")
    ap.add_argument("--deadline", type=float, help="seconds from the program's start in which to be done, instead of --seconds")
    ap.add_argument("--splits", default="train", help="splits of the real faces that are trained on")
    a = ap.parse_args()
    torch.manual_seed(1), random.seed(1), np.random.seed(1)
    torch.backends.cudnn.benchmark = True
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    t0 = time.time()
    log = lambda *x: print("%.0f s" % (time.time() - t0), *x, flush=True)
    groups, real = [], 0
    if a.faces:
        faces = [f for f in read_faces(a.faces) if f["split"] in a.splits.split(",")]
        patches = crack_patches(faces)
        plain = [(f["img"], *label(f["img"], f["marks"])) for f in faces]
        with Pool(min(8, os.cpu_count())) as pool:
            cracked = pool.map(with_cracks, [(f, patches, 1000 * r + k) for r in range(a.rounds) for k, f in enumerate(faces)], chunksize=8)
            stepped = pool.map(with_steps, [(f, faces[(7 * k + 31 * r + 5) % len(faces)], 5000 + 1000 * r + k) for r in range(max(1, a.rounds // 3)) for k, f in enumerate(faces)], chunksize=8)
        sections = read_sections(a.sections) if a.sections else []
        log(len(plain), "real faces,", len(patches), "real cracks to move,", len(cracked), "with cracks,", len(sections), "clear sections")
        real = int(a.batch * a.real)
        n = [int(real * .45), int(real * .3), int(real * .15)]
        groups = [(n[0], .5, plain), (n[1], .6, cracked), (n[2], .8, stepped), (real - sum(n), 0, sections or plain)]
    while a.wait and not os.path.exists(a.parts + "/done"):
        time.sleep(1)
    drawn = {"end": [], "face": []}
    for x in read_items(a.parts, "part"):
        drawn[x["view"]].append((x["surf"], x["bits"], middles(x["bits"])))
    log(len(drawn["end"]), "drawn ends,", len(drawn["face"]), "drawn faces")
    ends = round((a.batch - real) * a.ends)
    draw = Sampler([(ends, .5, drawn["end"]), (a.batch - real - ends, .45, drawn["face"]), *groups], dev)
    net = SurfaceNet().to(dev).to(memory_format=torch.channels_last)
    if a.start:
        net.load_state_dict(torch.load(a.start, map_location=dev))
    kept = Mean(net, a.decay)
    log(sum(p.numel() for p in net.parameters()), "parameters")
    opt = torch.optim.AdamW(net.parameters(), a.rate, weight_decay=1e-3)
    # How much a missed pixel and a class count; both push values up, which is why the answer is calibrated by region afterwards.
    missed, counts = torch.ones(K, 1, 1, device=dev), torch.ones(K, 1, 1, device=dev)
    for c, m, n in ((KNOT, 1.5, 1.), (CRACK, 2.5, 2.), (POCKET, 2., 1.2), (HOLE, 2., 1.2), (DENT, 1.5, .7), (STAIN, 1., .5), (PITH, 1.5, .5), (MARKING, 1.5, .6),
                    (MACHINING, 1., .25), (DIRT, 1., .25), (GLARE, 1., .2), (INDENTED, 1., .2), (SAPWOOD, 1., .15), (STREAK, 1., .2), (WOOD, 1., .6)):
        missed[c], counts[c] = m, n
    if a.deadline:
        a.seconds = max(5., a.deadline - (time.time() - t0))
    start, step = time.time(), 0
    while (done := (time.time() - start) / a.seconds) < 1:
        rate = a.rate * min(done / .06, .5 * (1 + math.cos(math.pi * max(0, done - .06) / .94))) + 1e-6
        for g in opt.param_groups:
            g["lr"] = rate
        if a.fixed:
            net.eval()
        x, y, weight = draw.draw()
        with torch.autocast("cuda" if dev == "cuda" else "cpu", torch.bfloat16, enabled=dev == "cuda"):
            o = net(x.contiguous(memory_format=torch.channels_last))
        o = o.float()
        loss = F.binary_cross_entropy_with_logits(o, y, reduction="none", pos_weight=missed)
        p = torch.sigmoid(o)
        with torch.no_grad():                                 # mild focus on what is still wrong
            loss_weight = weight * counts * (.3 + (p - y).abs())
        loss = (loss * loss_weight).sum() / weight.sum() * 2
        q = p[:, :PITH + 2] * (weight[:, :PITH + 2] > 0)
        t = y[:, :PITH + 2] * (weight[:, :PITH + 2] > 0)
        overlap = 1 - (2 * (q * t).sum((0, 2, 3)) + 1) / ((q + t).sum((0, 2, 3)) + 1)
        loss = loss + .15 * (overlap * counts[:PITH + 2, 0, 0]).mean()
        opt.zero_grad(), loss.backward(), opt.step(), kept.update()
        step += 1
        if step % 2 == 0:
            draw.learn(p.detach(), y, weight)
        if step in (50, 200) or step % 1000 == 0:
            log("step", step, "loss %.4f" % loss.item())
    log(step, "steps")
    kept.net.eval()
    torch.save(kept.net.state_dict(), a.out + "/surface.pt")
    export(kept.net, torch.zeros(1, 3, 256, 256), a.out + "/surface.onnx", "surface", "classes", {2: "h", 3: "w"}, {2: "h2", 3: "w2"})
    log("written")


if __name__ == "__main__":
    main()
