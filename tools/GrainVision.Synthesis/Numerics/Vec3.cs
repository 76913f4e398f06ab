namespace GrainVision.Synthesis;

/// <summary>A point or direction in the log or in front of the camera, mm.</summary>
public readonly record struct Vec3(double X, double Y, double Z)
{
    public static Vec3 operator +(Vec3 a, Vec3 b) => new(a.X + b.X, a.Y + b.Y, a.Z + b.Z);

    public static Vec3 operator -(Vec3 a, Vec3 b) => new(a.X - b.X, a.Y - b.Y, a.Z - b.Z);

    public static Vec3 operator -(Vec3 a) => new(-a.X, -a.Y, -a.Z);

    public static Vec3 operator *(Vec3 a, double k) => new(a.X * k, a.Y * k, a.Z * k);

    public double Length => Math.Sqrt(Dot(this));

    public double Dot(Vec3 b) => (X * b.X) + (Y * b.Y) + (Z * b.Z);

    public Vec3 Cross(Vec3 b) => new((Y * b.Z) - (Z * b.Y), (Z * b.X) - (X * b.Z), (X * b.Y) - (Y * b.X));

    public Vec3 Unit() => this * (1 / Length);

    /// <summary>Turned about a unit axis by an angle (right-handed), Rodrigues' formula.</summary>
    public Vec3 Turned(Vec3 axis, double rad)
    {
        var (sin, cos) = Math.SinCos(rad);
        return (this * cos) + (axis.Cross(this) * sin) + (axis * (axis.Dot(this) * (1 - cos)));
    }

    public static Vec3 Add(Vec3 left, Vec3 right) => left + right;

    public static Vec3 Subtract(Vec3 left, Vec3 right) => left - right;

    public static Vec3 Negate(Vec3 item) => -item;

    public static Vec3 Multiply(Vec3 left, double right) => left * right;
}
