using System.Data;
using System.Linq.Expressions;
using Dapper;

namespace GrainVision.Records.Schema;

/// <summary>
/// An object's members as a command's values, each under its whole name (<c>@Number</c>). For the commands that run thousands of times a second:
/// Dapper by itself names them without the <c>@</c>, and SQLite's driver then tries every prefix for every value (some 25 µs an entry of the log).
/// </summary>
internal static class NamedValues
{
    public static SqlMapper.IDynamicParameters From<T>(T values) => new Values<T>(values);

    private sealed class Values<T>(T values) : SqlMapper.IDynamicParameters
    {
        private static readonly (string Name, Func<T, object?> Get)[] Members = [.. typeof(T).GetProperties().Select(p => ("@" + p.Name, Getter(p.Name)))];

        public void AddParameters(IDbCommand command, SqlMapper.Identity identity)
        {
            foreach (var (name, get) in Members)
            {
                var parameter = command.CreateParameter();
                parameter.ParameterName = name;
                parameter.Value = get(values) ?? DBNull.Value;
                command.Parameters.Add(parameter);
            }
        }

        private static Func<T, object?> Getter(string property)
        {
            var from = Expression.Parameter(typeof(T));
            return Expression.Lambda<Func<T, object?>>(Expression.Convert(Expression.Property(from, property), typeof(object)), from).Compile();
        }
    }
}
