#pragma once

#include <Eigen/Core>
#include <type_traits>
#include <utility>

#include "pitchline/units/system.hpp"

namespace pitchline {

namespace detail {
/// An unevaluated element-wise expression: the type carries the unit, Eigen carries the numbers.
template <class Q, class Expression>
struct ColumnExpression {
  Expression si;  // coherent units, one number a row
};
}  // namespace detail

/// A column of quantities of one kind, kept as plain numbers so that Eigen can vectorise over them.
/// Arithmetic goes through `each(column)`, which knows the unit:
///
///     Column<Force> f = each(mass) * acceleration + each(friction);
///
/// An expression refers to the columns it was made from, so it must not outlive them.
template <class Q>
class Column {
 public:
  explicit Column(Eigen::Index rows) : si_(rows) {}
  // Implicit, because assigning an expression is the point.
  template <class Expression>
  Column(const detail::ColumnExpression<Q, Expression>& e)  // NOLINT(google-explicit-constructor)
      : si_(e.si) {}
  template <class Expression>
  Column& operator=(const detail::ColumnExpression<Q, Expression>& e) {
    si_ = e.si;
    return *this;
  }

  [[nodiscard]] Eigen::Index rows() const { return si_.size(); }
  Q operator[](Eigen::Index row) const { return Q::from_value(si_[row]); }
  void set(Eigen::Index row, const Q& q) { si_[row] = q.value(); }
  [[nodiscard]] Q smallest() const { return Q::from_value(si_.minCoeff()); }
  [[nodiscard]] Q largest() const { return Q::from_value(si_.maxCoeff()); }
  [[nodiscard]] Q sum() const { return Q::from_value(si_.sum()); }
  [[nodiscard]] const Eigen::ArrayXd& si() const { return si_; }  ///< for Eigen alone

 private:
  Eigen::ArrayXd si_;
};

/// Element-wise view of a column, the start of an expression.
template <class Q>
auto each(const Column<Q>& column) {
  return detail::ColumnExpression<Q, const Eigen::ArrayXd&>{column.si()};
}

namespace detail {

template <class Q, class E>
auto make_expression(E&& e) {
  return ColumnExpression<Q, std::decay_t<E>>{std::forward<E>(e)};
}

template <class Q, class A, class B>
auto operator+(const ColumnExpression<Q, A>& a, const ColumnExpression<Q, B>& b) {
  return make_expression<Q>(a.si + b.si);
}
template <class Q, class A, class B>
auto operator-(const ColumnExpression<Q, A>& a, const ColumnExpression<Q, B>& b) {
  return make_expression<Q>(a.si - b.si);
}
template <class P, class A, class Q, class B>
auto operator*(const ColumnExpression<P, A>& a, const ColumnExpression<Q, B>& b) {
  return make_expression<Product<P, Q>>(a.si * b.si);
}
template <class P, class A, class Q, class B>
auto operator/(const ColumnExpression<P, A>& a, const ColumnExpression<Q, B>& b) {
  return make_expression<Quotient<P, Q>>(a.si / b.si);
}
template <class P, class A, class Unit>
auto operator*(const ColumnExpression<P, A>& a, const boost::units::quantity<Unit, double>& q) {
  return make_expression<Product<P, boost::units::quantity<Unit, double>>>(a.si * q.value());
}
template <class P, class A, class Unit>
auto operator/(const ColumnExpression<P, A>& a, const boost::units::quantity<Unit, double>& q) {
  return make_expression<Quotient<P, boost::units::quantity<Unit, double>>>(a.si / q.value());
}
template <class P, class A, class Unit>
auto operator+(const ColumnExpression<P, A>& a, const boost::units::quantity<Unit, double>& q) {
  static_assert(std::is_same_v<P, boost::units::quantity<Unit, double>>);
  return make_expression<P>(a.si + q.value());
}
template <class P, class A>
auto operator*(const ColumnExpression<P, A>& a, double factor) {
  return make_expression<P>(a.si * factor);
}

}  // namespace detail

/// Element-wise smaller and larger of two expressions of one kind.
template <class Q, class A, class B>
auto smaller(const detail::ColumnExpression<Q, A>& a, const detail::ColumnExpression<Q, B>& b) {
  return detail::make_expression<Q>(a.si.min(b.si));
}
template <class Q, class A, class B>
auto larger(const detail::ColumnExpression<Q, A>& a, const detail::ColumnExpression<Q, B>& b) {
  return detail::make_expression<Q>(a.si.max(b.si));
}

}  // namespace pitchline
