"""The two networks. Channels are multiples of 16 and everything is 2-D: that is the runtime's fast path on AVX-512."""
import copy
import torch
import torch.nn as nn
import torch.nn.functional as F
from common import K


def conv(i, o, k=(3, 3), stride=1, dilation=(1, 1), groups=1):
    k, dilation = ((k, k) if isinstance(k, int) else k), ((dilation, dilation) if isinstance(dilation, int) else dilation)
    pad = (dilation[0] * (k[0] // 2), dilation[1] * (k[1] // 2))
    return nn.Sequential(nn.Conv2d(i, o, k, stride, pad, dilation, groups, bias=False), nn.BatchNorm2d(o))


class Block(nn.Module):
    """Residual. w: depthwise 3x3 then 1x1; 1: one dense 3x3; d, D, E: two dense 3x3, the first dilated by 1, 2, 4."""
    def __init__(self, c, kind):
        super().__init__()
        dil = {"D": 2, "E": 4}.get(kind, 1)
        self.a = None if kind == "1" else conv(c, c, groups=c if kind == "w" else 1, dilation=dil)
        self.b = conv(c, c, 1 if kind == "w" else 3)

    def forward(self, x):
        y = x if self.a is None else F.relu(self.a(x))
        return F.relu(x + self.b(y))


class SurfaceNet(nn.Module):
    """Half, quarter, eighth and sixteenth resolution; skips are added, not joined; upsampling repeats pixels. Gives logits at half resolution."""
    def __init__(self, c=(16, 32, 64, 96), down=("", "w", "d", "DE"), up=("w", "w", "1"), classes=K):
        super().__init__()
        self.down = nn.ModuleList([conv(3 if l == 0 else c[l - 1], c[l], 5 if l == 0 else 3, 2) for l in range(4)])
        self.enc = nn.ModuleList([nn.Sequential(*[Block(c[l], k) for k in down[l]]) for l in range(4)])
        self.up = nn.ModuleList([conv(c[l + 1], c[l], 1) for l in range(3)])
        self.dec = nn.ModuleList([nn.Sequential(*[Block(c[l], k) for k in up[l]]) for l in range(3)])
        self.out = nn.Conv2d(c[0], classes, 1)
        nn.init.constant_(self.out.bias, -3.)

    def forward(self, x):
        f = []
        for l in range(4):
            x = self.enc[l](F.relu(self.down[l](x)))
            f.append(x)
        for l in (2, 1, 0):
            x = self.dec[l](F.relu(F.interpolate(self.up[l](x), scale_factor=2., mode="nearest") + f[l]))
        return self.out(x)


class RingNet(nn.Module):
    """Three convolutions that halve the rows, mean and maximum over the rows, then dilated residual convolutions along the strip.
    Gives two logits a column: a ring boundary; not to be read as rings."""
    def __init__(self, c=(16, 32, 64), d=96, dilations=(1, 2, 4, 8, 16, 32, 1, 2, 4, 1)):
        super().__init__()
        self.stem = nn.Sequential(conv(3, c[0], 5, (2, 1)), nn.ReLU(), conv(c[0], c[1], 3, (2, 1)), nn.ReLU(), conv(c[1], c[2], 3, (2, 1)), nn.ReLU())
        self.mix = conv(2 * c[2], d, 1)
        self.blocks = nn.ModuleList([nn.Sequential(conv(d, d, (1, 5), dilation=(1, k)), nn.ReLU()) for k in dilations])
        self.out = nn.Conv2d(d, 2, (1, 5), padding=(0, 2))
        nn.init.constant_(self.out.bias, -2.)

    def forward(self, x):
        f = self.stem(x)                                     # rows 42 -> 21 -> 11 -> 6
        y = F.relu(self.mix(torch.cat([F.max_pool2d(f, (6, 1)), F.avg_pool2d(f, (6, 1))], 1)))
        for b in self.blocks:
            y = y + b(y)
        return self.out(y)[:, :, 0]


class Mean:
    """Running mean of the weights: what is kept."""
    def __init__(self, net, decay):
        self.net, self.decay, self.step = copy.deepcopy(net), decay, 0
        self.mean, self.now = ([v for v in n.state_dict().values() if v.dtype.is_floating_point] for n in (self.net, net))

    @torch.no_grad()
    def update(self):
        self.step += 1
        t = 1 - min(self.decay, self.step / (self.step + 10))
        if hasattr(torch, "_foreach_lerp_"):
            torch._foreach_lerp_(self.mean, self.now, t)
        else:
            for m, n in zip(self.mean, self.now):
                m.lerp_(n, t)


class WithSigmoid(nn.Module):
    def __init__(self, net):
        super().__init__()
        self.net = net

    def forward(self, x):
        return torch.sigmoid(self.net(x))


def export(net, example, path, name_in, name_out, axes_in, axes_out):
    net = WithSigmoid(copy.deepcopy(net).cpu().float().to(memory_format=torch.contiguous_format)).eval()
    more = {"dynamo": False} if "dynamo" in torch.onnx.export.__code__.co_varnames else {}
    torch.onnx.export(net, example, path, opset_version=17 if more else 16, input_names=[name_in], output_names=[name_out],
                      dynamic_axes={name_in: axes_in, name_out: axes_out}, **more)
    return net
