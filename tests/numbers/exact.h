/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file exact.h
 * A number in 200 bits (MPFR, by mpreal) that knows the size of the terms it came from.
 *
 * The size is what a formula would give if nothing in it cancelled: every
 * difference as a sum, every term by its magnitude, carried through quotients,
 * roots and angles to first order. An evaluation in doubles can be off by a
 * few units in the last place of the size, and where nothing cancels the size
 * is the result.
 */
#ifndef TRN_TEST_EXACT_H
#define TRN_TEST_EXACT_H

#include <cmath>

#include <mpreal.h>

#include "trunnion/trunnion.h"

enum { EXACT_BITS = 200 };

struct exact {
    mpfr::mpreal value;
    double size;

    exact(double given = 0) : value(given), size(std::fabs(given))
    {
    }
    exact(int given) : exact(double(given))
    {
    }
    exact(const mpfr::mpreal &of, double its_size) : value(of), size(its_size)
    {
    }
};

inline double magnitude(const exact &a)
{
    return std::fabs(a.value.toDouble());
}

inline exact operator-(const exact &a)
{
    return {-a.value, a.size};
}

inline exact operator+(const exact &a, const exact &b)
{
    return {a.value + b.value, a.size + b.size};
}

inline exact operator-(const exact &a, const exact &b)
{
    return {a.value - b.value, a.size + b.size};
}

/* The excess of a size over its number is what cancelled; in products and quotients it is carried to first order. */
inline exact operator*(const exact &a, const exact &b)
{
    return {a.value * b.value, magnitude(a) * (b.size - magnitude(b)) + a.size * magnitude(b)};
}

inline exact operator/(const exact &a, const exact &b)
{
    const double by = magnitude(b);
    return {a.value / b.value, (a.size + magnitude(a) / by * (b.size - by)) / by};
}

inline exact abs(const exact &a)
{
    return {mpfr::abs(a.value), a.size};
}

inline exact sqrt(const exact &a)
{
    const mpfr::mpreal root = mpfr::sqrt(a.value);
    const double by = root.toDouble();
    return {root, by > 0 ? (by + a.size / by) / 2 : std::sqrt(a.size)};
}

inline exact hypot(const exact &a, const exact &b)
{
    const mpfr::mpreal length = mpfr::hypot(a.value, b.value);
    const double by = length.toDouble();
    return {length, by > 0 ? (magnitude(a) * a.size + magnitude(b) * b.size) / by : std::hypot(a.size, b.size)};
}

/* Angles: what the sides are off by turns them, and they have their own last place. */
inline exact atan2(const exact &y, const exact &x)
{
    const mpfr::mpreal angle = mpfr::atan2(y.value, x.value);
    const double square = magnitude(x) * magnitude(x) + magnitude(y) * magnitude(y);
    return {angle, std::fabs(angle.toDouble()) + (magnitude(x) * y.size + magnitude(y) * x.size) / square};
}

inline exact acos(const exact &a)
{
    const mpfr::mpreal angle = mpfr::acos(a.value);
    return {angle, angle.toDouble() + a.size / mpfr::sqrt(1 - a.value * a.value).toDouble()};
}

inline exact cosine_of(double angle)
{
    const mpfr::mpreal value = mpfr::cos(mpfr::mpreal(angle));
    return {value, std::fabs(value.toDouble())};
}

inline exact sine_of(double angle)
{
    const mpfr::mpreal value = mpfr::sin(mpfr::mpreal(angle));
    return {value, std::fabs(value.toDouble())};
}

inline exact tangent_of(double angle)
{
    const mpfr::mpreal value = mpfr::tan(mpfr::mpreal(angle));
    return {value, std::fabs(value.toDouble())};
}

inline exact pi()
{
    const mpfr::mpreal value = mpfr::const_pi();
    return {value, value.toDouble()};
}

inline const exact &max(const exact &a, const exact &b)
{
    return a.value < b.value ? b : a;
}

inline const exact &min(const exact &a, const exact &b)
{
    return b.value < a.value ? b : a;
}

/* A result that a function gives to its own last place whatever cancels on the way: its terms no longer count. */
inline exact itself(const exact &a)
{
    return {a.value, magnitude(a)};
}

/* Sum and difference of two given numbers: off by their own last place alone. */
inline exact sum_of_given(double a, double b)
{
    return itself(exact(a) + exact(b));
}

inline exact gap_of_given(double a, double b)
{
    return itself(exact(a) - exact(b));
}

struct exact_point {
    exact x;
    exact y;
};

inline exact_point given(trn_point at)
{
    return {at.x, at.y};
}

inline exact_point gap(trn_point from, trn_point to)
{
    return {gap_of_given(to.x, from.x), gap_of_given(to.y, from.y)};
}

inline exact_point operator+(const exact_point &a, const exact_point &b)
{
    return {a.x + b.x, a.y + b.y};
}

inline exact_point operator-(const exact_point &a, const exact_point &b)
{
    return {a.x - b.x, a.y - b.y};
}

inline exact_point operator*(const exact &by, const exact_point &a)
{
    return {by * a.x, by * a.y};
}

inline exact dot(const exact_point &a, const exact_point &b)
{
    return a.x * b.x + a.y * b.y;
}

inline exact cross(const exact_point &a, const exact_point &b)
{
    return a.x * b.y - a.y * b.x;
}

inline exact length_of(const exact_point &a)
{
    return hypot(a.x, a.y);
}

/* A rotation by a given angle. */
struct exact_turn {
    exact cosine;
    exact sine;
};

inline exact_turn turn_by(double angle)
{
    return {cosine_of(angle), sine_of(angle)};
}

inline exact_point turned(const exact_point &a, const exact_turn &by)
{
    return {a.x * by.cosine - a.y * by.sine, a.x * by.sine + a.y * by.cosine};
}

#endif
