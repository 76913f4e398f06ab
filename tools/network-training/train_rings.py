#!/usr/bin/env python3
"""Trains the ring net on strips from prepare.py; writes OUT/rings.onnx, rings.pt.

Input  `strip` 1 x 3 x 42 x n float: a strip along the ring path, 14 columns a mm, rows 1/7 mm apart, RGB, normalised by norm().
Output `boundary` 1 x 2 x n: chance of a ring boundary (where the latewood ends) on a column; chance that it cannot be read as rings.
usage: train_rings.py PARTS OUT [--seconds 200] [--batch 128] [--start rings.pt]
"""
import argparse, glob, math, pickle, random, time
from common import *
from nets import Mean, RingNet, export
import looks

LENGTH = 512
SIGMA = 1.3               # columns: width of the bump about a boundary that is asked for


def norm(x):
    """x: B x 3 x rows x n, 0 to 255. m = mean over the rows; d = x - mean of m over 141 columns; contrast = root(mean over 281 columns,
    the rows and the channels of d^2, plus 9); d / contrast. Windows are cut off at the strip's ends."""
    box = lambda v, k: F.avg_pool1d(v, k, 1, k // 2, count_include_pad=False)
    d = x - box(x.mean(2), 141)[:, :, None]
    return d / torch.sqrt(box((d * d).mean(2), 281).mean(1) + 9)[:, None, None]


class Sampler:
    """All strips in one flat buffer on the GPU; samples are cut and altered there."""
    def __init__(self, items, dev):
        self.dev = dev
        self.w = torch.tensor([x["strip"].shape[1] for x in items], device=dev)
        self.off = torch.cumsum(self.w * ROWS, 0) - self.w * ROWS
        self.start = torch.cumsum(self.w, 0) - self.w
        self.buf = torch.tensor(np.concatenate([x["strip"].reshape(-1, 3) for x in items])).to(dev)
        self.bad = torch.tensor(np.concatenate([x["bad"] for x in items])).to(dev)
        most = max(len(x["bound"]) for x in items)
        self.b = torch.tensor(np.stack([np.r_[x["bound"], np.full(most - len(x["bound"]), -1e6)] for x in items]), device=dev, dtype=torch.float32)
        gap = np.stack([np.r_[np.minimum(np.diff(x["bound"], prepend=-1e6), np.diff(x["bound"], append=1e6)), np.full(most - len(x["bound"]), 1e6)] for x in items])
        self.gap = torch.tensor(gap, device=dev, dtype=torch.float32)
        self.fine = torch.tensor([float(np.percentile(np.diff(x["bound"]), 25)) for x in items], device=dev)
        porous = np.array([2.5 if "ash" in x["species"] else 1. for x in items])
        spread = np.array([1 + min(2., float(np.std(np.log(np.maximum(np.diff(x["bound"]), 1))))) * 2 for x in items])
        self.often = torch.tensor(porous * spread, device=dev)

    def batch(self, B):
        d = self.dev
        u = lambda *s: torch.rand(*s, device=d)
        i = torch.multinomial(self.often, B, replacement=True)
        w = self.w[i].float()
        scale = torch.exp(math.log(.28) + u(B) * math.log(1.5 / .28))
        # Rarely finer than a quarter of the rings can be told at.
        scale = torch.where(u(B) < .9, torch.maximum(scale, (3.6 / self.fine[i]).clamp(max=1.3)), scale)
        length = LENGTH / scale
        first = torch.where(w > length, u(B) * (w - length).clamp(min=0), -(length - w).clamp(min=0) * u(B))
        back = u(B) < .5
        xs = torch.arange(LENGTH, device=d).float()
        x = torch.where(back[:, None], LENGTH - 1 - xs, xs) / scale[:, None] + first[:, None]
        rows = (torch.arange(ROWS, device=d).float()[None] - 20.5) * (.6 + .4 * u(B))[:, None] + 20.5 + (u(B)[:, None] - .5) * 8
        # Rings aslant and bent within the band: up to 20 degrees (0.73 columns a row), radii from 12 mm.
        slant = torch.randn(B, device=d) * .1 + torch.where(u(B) < .35, (u(B) - .5) * 1.46, torch.zeros(B, device=d))
        bend = torch.where(u(B) < .3, (u(B) - .5) * .024, torch.zeros(B, device=d))
        r = torch.arange(ROWS, device=d).float()[None] - 20.5
        shift = slant[:, None] * r + bend[:, None] * (r * r - 147)
        X = x[:, None] + shift[:, :, None]
        Y = rows[:, :, None].expand_as(X)
        Y = torch.where((u(B) < .5)[:, None, None], ROWS - 1 - Y, Y)
        img = 0
        for o in (-1 / 3, 0, 1 / 3):                                        # three taps: smoothing when shrunk
            img = img + self.sample(i, X + o / scale[:, None, None], Y) / 3
        img = img.permute(0, 3, 1, 2)
        pos = (self.b[i] - first[:, None]) * scale[:, None]
        pos = torch.where(back[:, None], LENGTH - 1 - pos, pos)
        # The bump narrows where boundaries stand close, so that it has a peak for each.
        sigma = (self.gap[i] * scale[:, None] * .28).clamp(.8, SIGMA)
        y = torch.exp(-.5 * ((xs[None, None] - pos[:, :, None]) / sigma[:, :, None]) ** 2).amax(1)
        inside = (x >= 0) & (x < w[:, None])
        k = self.bad[(self.start[i][:, None] + x.round().long().clamp(min=0)).minimum((self.start[i] + self.w[i] - 1)[:, None])].long()
        lost, thin, unasked = k == 2, k == 1, (k == 3) | ~inside
        weight = torch.where(unasked, 0., torch.where(lost, .25, 1.))
        too_fine = (self.gap[i] * scale[:, None] < 2.6) & (pos > -1e4)
        near = ((xs[None, None] - pos[:, :, None]).abs() < 4) & too_fine[:, :, None]
        weight = torch.where(near.any(1), 0., weight)
        y = torch.where(lost, 0., y)
        bad, bad_weight = (lost | thin).float(), torch.where(inside, 1., 0.)
        return *self.look(img, bad, bad_weight, xs), y, weight

    def look(self, img, bad, bad_weight, xs):
        B, d = img.shape[0], self.dev
        u = lambda *s: torch.rand(*s, device=d)
        img = looks.focus(img, .5, 2.2)
        img = looks.light(img, 12., 10.)
        img = img * (1 + .45 * (u(B, 1, 1, 1) - .5) * torch.sin(xs * (.004 + .02 * u(B, 1, 1, 1)) + 6.3 * u(B, 1, 1, 1)))
        rows = torch.arange(ROWS, device=d).float()[None, :, None]
        speck = F.max_pool2d((u(B, 1, ROWS, LENGTH) < 3e-4 * (u(B, 1, 1, 1) < .4)).float(), 3, 1, 1)
        img = torch.where(speck > 0, 20 + 90 * u(B, 1, 1, 1), img)
        # Saw marks: many faint parallel lines in one direction; scratches, pencil, knife lines: single ones; none is a ring.
        sl, pitch = (u(B, 1, 1) - .5) * 4, 6 + 40 * u(B, 1, 1)
        phase = (xs[None, None] - sl * rows) / pitch + u(B, 1, 1) + .15 * torch.sin(rows / 7 + 6 * u(B, 1, 1))
        saw = torch.exp(-((phase - phase.round()) * pitch / (.6 + 1.2 * u(B, 1, 1))) ** 2) * (u(B, 1, 1) < .3)
        img = img * (1 + ((u(B, 1, 1, 1) - .6) * .45) * saw[:, None])
        for _ in range(3):
            x0, sl, bow = u(B, 1, 1) * LENGTH, (u(B, 1, 1) - .5) * 3, (u(B, 1, 1) - .5) * .03
            half, on = .5 + 1.6 * u(B, 1, 1) ** 2, u(B, 1, 1) < .22
            line = ((xs[None, None] - x0 - sl * (rows - 21) - bow * (rows - 21) ** 2).abs() < half) & on
            r0 = u(B, 1, 1) * ROWS * 1.2 - 8
            part = (u(B, 1, 1) < .5) | ((rows > r0) & (rows < r0 + 20))
            line = line & part
            strong = .35 + .6 * u(B, 1, 1, 1)
            img = torch.where(line[:, None], img * (1 - strong) + strong * (10 + 90 * u(B, 1, 1, 1)), img)
            crossed = (F.max_pool2d(line.float()[:, None], (1, 7), 1, (0, 3))[:, 0].mean(1) > .5).float()
            bad = torch.maximum(bad, crossed)
        return norm(looks.jpeg(F.pad(img, (0, 0, 0, 6), "replicate"), .3)[:, :, :ROWS]), bad, bad_weight

    def sample(self, i, X, Y):
        w = self.w[i][:, None, None]
        X = torch.minimum(X.clamp(min=0), (w - 1).float())
        Y = Y.clamp(0, ROWS - 1)
        x0, y0 = X.floor(), Y.floor()
        fx, fy = (X - x0)[..., None], (Y - y0)[..., None]
        x0, y0 = x0.long(), y0.long()
        x1, y1 = torch.minimum(x0 + 1, w - 1), (y0 + 1).clamp(max=ROWS - 1)
        at = lambda a, b: self.buf[self.off[i][:, None, None] + b * w + a].float()
        return (at(x0, y0) * (1 - fx) + at(x1, y0) * fx) * (1 - fy) + (at(x0, y1) * (1 - fx) + at(x1, y1) * fx) * fy


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("parts"), ap.add_argument("out"), ap.add_argument("--start")
    ap.add_argument("--seconds", type=float, default=200), ap.add_argument("--batch", type=int, default=128)
    ap.add_argument("--rate", type=float, default=3e-3)
    a = ap.parse_args()
    torch.manual_seed(1), np.random.seed(1)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    torch.backends.cudnn.benchmark = True
    t0 = time.time()
    log = lambda *x: print("rings %.0f s" % (time.time() - t0), *x, flush=True)
    items = [x for x in read_items(a.parts, "strips") if not held_back(x) and len(x["bound"]) > 2 and x["strip"].shape[1] > 60]
    draw, net = Sampler(items, dev), RingNet().to(dev)
    if a.start:
        net.load_state_dict(torch.load(a.start, map_location=dev))
    kept = Mean(net, .999)
    log(len(items), "strips,", sum(p.numel() for p in net.parameters()), "parameters")
    opt = torch.optim.AdamW(net.parameters(), a.rate, weight_decay=1e-3)
    start, step = time.time(), 0
    three = torch.tensor(2.5, device=dev)
    while (done := (time.time() - start) / a.seconds) < 1:
        for g in opt.param_groups:
            g["lr"] = a.rate * min(done / .08, .5 * (1 + math.cos(math.pi * max(0, done - .08) / .92))) + 1e-6
        x, bad, bad_weight, y, weight = draw.batch(a.batch)
        with torch.autocast("cuda" if dev == "cuda" else "cpu", torch.bfloat16, enabled=dev == "cuda"):
            o = net(x)
        o = o.float()
        loss = F.binary_cross_entropy_with_logits(o[:, 0], y, reduction="none", pos_weight=three)
        loss = (loss * weight * (.4 + (torch.sigmoid(o[:, 0].detach()) - y).abs())).sum() / weight.sum() * 1.5
        other = F.binary_cross_entropy_with_logits(o[:, 1], bad, reduction="none")
        loss = loss + .3 * (other * bad_weight).sum() / bad_weight.sum()
        opt.zero_grad(), loss.backward(), opt.step(), kept.update()
        step += 1
        if step % 500 == 0:
            log("step", step, "loss %.4f" % loss.item())
    log(step, "steps")
    kept.net.eval()
    torch.save(kept.net.state_dict(), a.out + "/rings.pt")
    export(kept.net, torch.zeros(1, 3, ROWS, LENGTH), a.out + "/rings.onnx", "strip", "boundary", {3: "n"}, {2: "n"})
    log("written")


if __name__ == "__main__":
    main()
